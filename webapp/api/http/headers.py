"""Headers on every answer: what the client's pages may do, and to whom they may speak (nobody)."""

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
    """Set them on every answer of the app; what the API says is not kept by caches."""

    @app.after_request
    def add(response: Response) -> Response:
        response.headers.update(HEADERS)
        if request.is_secure:
            response.headers["Strict-Transport-Security"] = "max-age=63072000"
        if request.path.startswith("/api/"):
            response.headers.setdefault("Cache-Control", "no-store")
            # Whoever is led to such an address by a link gets a file with a name of ours.
            response.headers.setdefault("Content-Disposition", _as_file(response))
        return response
