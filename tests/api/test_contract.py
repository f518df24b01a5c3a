"""Every route conforms to its OpenAPI document, checked with schemathesis."""

from __future__ import annotations

import tempfile

import pytest
import schemathesis
from flask import Flask
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.specs.openapi.checks import positive_data_acceptance

from tests.examples import examples
from webapp import create_app
from webapp.api.openapi import document

# Routes that reject some valid input, as JSON Schema cannot describe a ZIP or a picture.
INDESCRIBABLE = {
    "/api/import": [positive_data_acceptance],
    "/api/photos/{id_}": [positive_data_acceptance],
}


@schemathesis.serializer("application/zip")
def as_it_is(_: schemathesis.SerializationContext, value: object) -> bytes:
    return value if isinstance(value, bytes) else str(value).encode("utf-8", "replace")


def routes() -> list[tuple[str, str]]:
    with tempfile.TemporaryDirectory() as folder:
        url = f"sqlite:///{folder}/book.sqlite"
        paths = document(create_app({"DATABASE_URL": url, "CHECK_DATABASE": False}))["paths"]
    return [(path, method) for path, methods in paths.items() for method in methods]


@pytest.mark.parametrize(("path", "method"), routes())
def test_responses_match_the_openapi_document(app: Flask, path: str, method: str) -> None:
    schema = schemathesis.openapi.from_wsgi("/api/openapi.json", app)

    @settings(
        max_examples=examples(25, wide=300),
        deadline=None,
        suppress_health_check=list(HealthCheck),
        phases=(Phase.explicit, Phase.generate),
    )
    @given(case=schema[path][method].as_strategy())
    def holds(case: schemathesis.Case) -> None:
        # A WSGI client does not decompress responses.
        case.call_and_validate(
            headers={"Accept-Encoding": "identity"}, excluded_checks=INDESCRIBABLE.get(path, [])
        )

    holds()
