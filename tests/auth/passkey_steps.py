"""Steps of the passkey tests: add a passkey and sign in with it."""

from __future__ import annotations

from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.auth.conftest import KEY, browser
from tests.auth.soft_authenticator import SoftAuthenticator


def options(client: FlaskClient, path: str = "/api/passkeys/options") -> dict[str, Any]:
    answer = client.post(path)
    assert answer.status_code == 200, answer.text
    payload: dict[str, Any] = answer.json
    return payload


def sign_in_options(client: FlaskClient) -> dict[str, Any]:
    return options(client, "/api/passkeys/sign-in/options")


def try_to_add(
    client: FlaskClient, authenticator: SoftAuthenticator, name: str = "a key"
) -> TestResponse:
    made = authenticator.create(options(client))
    return client.post("/api/passkeys", json={**made, "name": name})


def added(client: FlaskClient, name: str = "a key", **parts: Any) -> SoftAuthenticator:
    """Add a passkey through this client and return its authenticator."""
    authenticator = SoftAuthenticator(**parts)
    answer = try_to_add(client, authenticator, name)
    assert answer.status_code == 200, answer.text
    return authenticator


def try_to_sign_in(client: FlaskClient, authenticator: SoftAuthenticator) -> TestResponse:
    shown = authenticator.get(sign_in_options(client))
    return client.post("/api/passkeys/sign-in", json={**shown, "device_name": "by passkey"})


def signed_in_by(app: Flask, authenticator: SoftAuthenticator, key: str = KEY) -> FlaskClient:
    client = browser(app, key)
    answer = try_to_sign_in(client, authenticator)
    assert answer.status_code == 200, answer.text
    return client


def passkeys(client: FlaskClient) -> list[dict[str, Any]]:
    answer = client.get("/api/passkeys")
    assert answer.status_code == 200, answer.text
    found: list[dict[str, Any]] = answer.json["passkeys"]
    return found
