# Stowright. "make help" lists the targets; each sets up what it needs.

PYTHON ?= $(shell for p in python3.11 python3.12 python3.13 python3; do \
	$$p -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null && echo $$p && break; done)
PREPARE = @test -n "$(PYTHON)" || { echo "Please install Python 3.11 or later."; exit 1; }; $(PYTHON) .ci/prepare.py
IN_VENV = .venv/bin/python

.PHONY: help run plan test checks mutants soak bench measure clean
.DEFAULT_GOAL := help

help: ## list the targets
	@sed -n 's/^\([a-z]*\):.*## /\1\t/p' Makefile | expand -t 8

run: ## plan the demo order, then serve the web application and its worker on PORT (8000); Ctrl-C stops
	$(PREPARE) run
	@exec $(IN_VENV) manage.py serve

plan: ## plan one order file: make plan ORDER=file.json OUT=dir [SECONDS=2] [EFFORT=steps] [SEED=n]
	@test -n "$(ORDER)" -a -n "$(OUT)" || { echo "Usage: make plan ORDER=file.json OUT=dir [SECONDS=2] [EFFORT=steps] [SEED=n]"; exit 2; }
	$(PREPARE) run
	@exec $(IN_VENV) -m packing "$(ORDER)" --out "$(OUT)" \
		$(if $(SECONDS),--seconds $(SECONDS)) $(if $(EFFORT),--effort $(EFFORT)) $(if $(SEED),--seed $(SEED))

# Tests have a data folder of their own and take no settings from outside.
test: export STOWRIGHT_DATA = $(CURDIR)/.venv/test-data
test: ## linters, types, import contracts and tests, with everything they need: make test [DATABASE=postgresql]
	@test -z "$(DATABASE)" -o "$(DATABASE)" = postgresql || { echo "DATABASE may be postgresql, or left out: SQLite, and on PostgreSQL what depends on the database."; exit 2; }
	$(PREPARE) test
	@$(IN_VENV) -m ruff check .
	@$(IN_VENV) -m ruff format --check .
	@.venv/bin/mypy
	@.venv/bin/lint-imports
	@env -u DATABASE_URL -u CELERY_BROKER_URL $(IN_VENV) manage.py check
	@env -u DATABASE_URL -u CELERY_BROKER_URL $(IN_VENV) manage.py makemigrations --check --dry-run
ifeq ($(DATABASE),postgresql)
	@env -u CELERY_BROKER_URL $(IN_VENV) -m tests.on_postgresql -rs
else
	@env -u DATABASE_URL -u CELERY_BROKER_URL $(IN_VENV) -m pytest -rs
	@env -u CELERY_BROKER_URL $(IN_VENV) -m tests.on_postgresql -m both_databases -q
endif

checks: ## list the outside checks with their sources and count them
	$(PREPARE) test
	@exec $(IN_VENV) -m tests.outside

mutants: ## change each published figure by one step and list what no test notices: make mutants [FILE=carry]
	$(PREPARE) test
	@exec $(IN_VENV) -m tests.mutation $(if $(FILE),--file $(FILE))

soak: ## kill workers, race clients, watch memory, fuzz forms, on both databases: make soak [MINUTES=30] [ONLY=sqlite]
	$(PREPARE) test
	@exec $(IN_VENV) -m tests.soak $(if $(MINUTES),--minutes $(MINUTES)) $(if $(ONLY),--only $(ONLY))

bench: ## measure the search against known answers and rivals: make bench [QUICK=1] [LONG=1]
	$(PREPARE) test
	@exec $(IN_VENV) -m tests.bench $(if $(QUICK),--quick) $(if $(LONG),--long)

measure: ## print how the code stands: sizes, untyped content, words that decide, documentation
	@$(PYTHON) .ci/measure.py

clean: ## remove the environment and what tools left behind; the data folder stays
	rm -rf .venv .mypy_cache .ruff_cache .pytest_cache .import_linter_cache
	find packing shop tests -name __pycache__ -type d -prune -exec rm -rf {} +
