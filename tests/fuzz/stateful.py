"""Walks over the API along the links of its OpenAPI document, with schemathesis."""

from __future__ import annotations

import schemathesis
from flask import Flask
from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test
from schemathesis.specs.openapi.checks import positive_data_acceptance


def walk(app: Flask, walks: int, steps: int) -> None:
    """Run sequences of requests in which later ones use data from earlier responses."""
    schema = schemathesis.openapi.from_wsgi("/api/openapi.json", app)

    class Walk(schema.as_state_machine()):  # type: ignore[misc]
        def get_call_kwargs(self, case: schemathesis.Case) -> dict[str, object]:
            # A WSGI client does not decompress responses.
            return {"headers": {"Accept-Encoding": "identity"}}

        def validate_response(self, response, case, **kwargs):  # type: ignore[no-untyped-def]
            case.validate_response(response, excluded_checks=[positive_data_acceptance])

    run_state_machine_as_test(
        Walk,
        settings=settings(
            max_examples=walks,
            stateful_step_count=steps,
            deadline=None,
            database=None,
            suppress_health_check=list(HealthCheck),
            phases=(Phase.generate,),
        ),
    )
