"""The client's files, as they are served."""
