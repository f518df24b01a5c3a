"""Python ports of rules that only the client computes; the tests compare both.

They have the same names as in ``static/rules``; ``tests/vectors`` has the cases for both. Rules
that the server computes too are in ``webapp/rules``.
"""
