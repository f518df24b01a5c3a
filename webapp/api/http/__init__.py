"""Shared parts of the API resources: request bodies, problem documents, headers."""
