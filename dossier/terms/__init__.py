"""What holds for many jobs: makers' terms sheets, catalogues, localities and the company."""
