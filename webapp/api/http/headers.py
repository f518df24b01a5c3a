"""Security headers of every response; pages may load and connect to this server only."""

from __future__ import annotations

from flask import Flask, Response, request

CONTENT_SECURITY_POLICY = "; ".join(
    [
        "default-src 'self'",
        "script-src 'self' 'wasm-unsafe-eval'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "object-src 'none'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "form-action 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "require-trusted-types-for 'script'",
        "trusted-types secondnose",
    ]
)
PERMISSIONS_POLICY = (
    "camera=(self), microphone=(), geolocation=(), payment=(), usb=(), serial=(), hid=(), midi=(), "
    "display-capture=(), accelerometer=(), gyroscope=(), magnetometer=()"
)
HEADERS = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Permissions-Policy": PERMISSIONS_POLICY,
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}


def _as_file(response: Response) -> str:
    is_json = (response.mimetype or "").endswith("json")
    return "attachment; filename=api.json" if is_json else "attachment"


def add_headers(app: Flask) -> None:
    """Set the headers on every response; forbid caching of API responses."""

    @app.after_request
    def add(response: Response) -> Response:
        response.headers.update(HEADERS)
        if request.is_secure:
            response.headers["Strict-Transport-Security"] = "max-age=63072000"
        if request.path.startswith("/api/"):
            response.headers.setdefault("Cache-Control", "no-store")
            # A browser that follows a link to the API saves a file and does not render it.
            response.headers.setdefault("Content-Disposition", _as_file(response))
        return response
