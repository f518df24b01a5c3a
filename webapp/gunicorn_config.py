"""For gunicorn: `gunicorn webapp.wsgi:app --config python:webapp.gunicorn_config`.

Options on the command line (`--workers`, `--threads`, `--bind`) go before these.
"""

worker_class = "webapp.server.worker.BoundedWorker"
bind = "127.0.0.1:8000"
workers = 4
threads = 4
loglevel = "warning"
control_socket_disable = True
# A little more than STOP_S of `webapp.config`, within which a worker answers what it has begun.
graceful_timeout = 20
