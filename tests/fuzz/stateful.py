"""Walks over the API along the links of its own document, by schemathesis."""

from __future__ import annotations

import schemathesis
from flask import Flask
from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test
from schemathesis.specs.openapi.checks import positive_data_acceptance


def walk(app: Flask, walks: int, steps: int) -> None:
    """Each walk is a row of requests, of which later ones use what earlier ones were told."""
    schema = schemathesis.openapi.from_wsgi("/api/openapi.json", app)

    class Walk(schema.as_state_machine()):  # type: ignore[misc]
        def get_call_kwargs(self, case: schemathesis.Case) -> dict[str, object]:
            # Over WSGI nobody unpacks a compressed answer.
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
