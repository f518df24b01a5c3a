"""What the resources of the API share: bodies, problems, headers."""
