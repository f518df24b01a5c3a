# The main targets are `run` and `test`. They install what they need, or print one line that says what is missing.
PYTHON ?= python3
VENV := .venv
PY := $(VENV)/bin/python
PORT ?= 8000
PART ?=
TOOLS := .tools/node_modules/.package-lock.json
AUDIT := .tools/audit
BIN := .tools/node_modules/.bin
SCRIPTS := '.ci/*.mjs' 'static/**/*.{css,js}' 'tests/**/*.{js,mjs}' '!static/packed/**' '!static/vendor/**'

# One worker more than there are processors, because a browser test waits for its browser half of the time.
WORKERS ?= $(shell $(PYTHON) -c "import os; print((os.cpu_count() or 1) + 1)")
PYTEST := $(PY) -m pytest -n $(WORKERS) --dist loadfile

# Compiled modules are kept, because every process of the tests would compile them again.
unexport PYTHONDONTWRITEBYTECODE

.PHONY: run test test-all quick stress check format lint audit bench fuzz mutants mutants-js shots pack lock vendor clean

run: $(VENV)/.run
	@$(PY) -m webapp serve --port $(PORT) --demo

# Tests that every change must pass.
test: $(VENV)/.test $(TOOLS)
	@$(PY) .ci/parts.py browser firefox postgres pooler
	@$(PYTEST) -m "not extended"

# All tests, with a wider search for counterexamples, and then again under load.
test-all: $(VENV)/.test $(TOOLS)
	@$(PY) .ci/parts.py browser firefox postgres pooler
	@SECONDNOSE_WIDE=1 $(PYTEST)
	@$(PY) -m tests.stress

# The tests nearest to the changed files, in about a minute.
quick: $(VENV)/.test $(TOOLS)
	@$(PY) .ci/parts.py browser
	@$(PY) -m tests.quick

# Every test (or those in FILES) twenty times, with both cores busy.
stress: $(VENV)/.test $(TOOLS)
	@$(PY) .ci/parts.py browser firefox postgres pooler
	@$(PY) -m tests.stress $(FILES)

# Formats, lints and packs by the hooks of .pre-commit-config.yaml; fails if that changed a file.
check: $(VENV)/.test $(TOOLS)
	@$(PY) -m pre_commit run --all-files --show-diff-on-failure
	@$(MAKE) --no-print-directory audit

lint: $(VENV)/.test $(TOOLS)
	$(PY) -m ruff check .
	$(PY) -m mypy
	$(BIN)/tsc -p .ci/tsconfig.json
	$(BIN)/eslint --config .ci/eslint.config.mjs .ci static tests

format: $(VENV)/.test $(TOOLS)
	$(PY) -m ruff format .
	$(BIN)/prettier --config .ci/prettier.json --log-level warn --write $(SCRIPTS)

# CycloneDX lists of all components in build/sbom, and their known vulnerabilities.
audit: $(VENV)/.test
	@$(PY) .ci/parts.py node
	@[ $(AUDIT)/.made -nt .ci/locks/audit.txt ] || { $(PYTHON) -m venv $(AUDIT) && \
	  $(AUDIT)/bin/python -m pip install -q --disable-pip-version-check --require-hashes -r .ci/locks/audit.txt && \
	  touch $(AUDIT)/.made; } || echo "The audit tools cannot be installed; components and vulnerabilities are not checked."
	@[ ! -e $(AUDIT)/.made ] || $(AUDIT)/bin/python .ci/sbom.py build/sbom

bench: $(VENV)/.test
	@$(PY) .ci/parts.py browser
	$(PY) -m tests.bench.palate
	$(PY) -m tests.bench.company
	$(PY) -m tests.bench.sync
	$(PY) -m tests.bench.client

# 105,000 hostile bodies, archives and pictures; `make test` runs a smaller set.
fuzz: $(VENV)/.test
	$(PY) -m tests.fuzz

# Mutation tests of the server: each small change must fail a test (`make mutants PART=sync`).
mutants: $(VENV)/.test
	nice -n 15 $(PY) -m tests.mutants $(PART)

# Mutation tests of the phone's store, sync, rules and group tasting (`make mutants-js FILES=sync/`).
mutants-js: $(TOOLS)
	nice -n 15 node tests/mutants/run.mjs --at-least 95 $(if $(FILES),--files $(FILES))

shots: $(VENV)/.test
	@$(PY) .ci/parts.py browser
	$(PY) -m tests.screenshots

# Builds the client's bundle; run it after a change in static/.
pack: $(TOOLS)
	@cd .tools && node ../.ci/pack.mjs

# `lock` renews the locks from pyproject.toml, `vendor` the client's modules from static/vendor/package.json.
lock: $(VENV)/.test
	$(PY) -m pip install -q uv
	$(PY) -m uv pip compile -q --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-emit-find-links --no-header --extra workers pyproject.toml -o .ci/locks/run.txt
	$(PY) -m uv pip compile -q --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-emit-find-links --no-header --extra workers --extra test pyproject.toml -o .ci/locks/test.txt
	$(PY) -m uv pip compile -q --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-emit-find-links --no-header --group audit -o .ci/locks/audit.txt

vendor:
	cd static/vendor && npm run lock && npm ci && node refresh.mjs && rm -rf node_modules

$(VENV)/.run: .ci/locks/run.txt
	@PYTHON="$(PYTHON)" .ci/venv run

$(VENV)/.test: .ci/locks/test.txt
	@PYTHON="$(PYTHON)" .ci/venv test

$(TOOLS): static/vendor/package.json static/vendor/package-lock.json $(VENV)/.test
	@$(PY) .ci/parts.py node
	@mkdir -p .tools && cp static/vendor/package.json static/vendor/package-lock.json .tools/
	@cd .tools && npm ci --no-audit --no-fund --loglevel=error
	@touch $@

clean:
	rm -rf $(VENV) .tools
