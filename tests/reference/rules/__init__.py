"""Rules that only the client computes, in Python, to test the client's by.

They are ports of ``static/rules`` under the same names; ``tests/vectors`` has the cases for both.
What the server computes too is in ``webapp/rules``.
"""
