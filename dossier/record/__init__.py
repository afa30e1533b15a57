"""What somebody wrote in one job: `job.yaml` and `photos.yaml` as frozen models."""
