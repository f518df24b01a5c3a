"""HTTP on the wire: waitress with a bound on every body, every wait and every connection.

`secondnose serve` runs it with threads in one process; `worker` runs it in gunicorn's processes.
"""
