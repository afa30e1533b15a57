"""What an office does with a job: typed input, typed result; nothing is printed, no argument read."""
