"""The HTTP server: waitress, with limits on bodies, waiting times and connections.

`secondnose serve` runs it with threads in one process; `worker` runs it in gunicorn's processes.
"""
