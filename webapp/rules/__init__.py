"""Rules of law and of tasting that the server computes, over the data of ``static/spec``.

Everything here is a function of its arguments and of those files: no Flask, no SQL, no clock. Dates
come in as arguments; codes and numbers go out, never sentences. Each function has a port in
``static/rules`` under the same name, tested by the same cases of ``tests/vectors``.
"""
