"""Rules of law and of tasting that the server computes from the data of ``static/spec``.

All functions are pure: no Flask, no SQL, no clock. Dates are arguments; results are codes and
numbers, never sentences. Each function has a port of the same name in ``static/rules``, tested with
the same ``tests/vectors``.
"""
