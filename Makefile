# `make demo` and `make test` set themselves up; `make help` lists the rest.
# PYTHON=python3.12 chooses the interpreter for a new .venv.

BIN = .venv/bin
DEMO = whole-house

.PHONY: help setup demo test check bench docs clean

help: ## list the targets
	@sed -n 's/^\([a-z]*\):.*## /\1	/p' Makefile

setup: ## make .venv and install, when pyproject.toml changed
	@PYTHON='$(PYTHON)' sh scripts/setup.sh

demo: setup ## design a whole house on rain, in an invented climate (DEMO=barrels for another)
	@$(BIN)/eavewell design examples/$(DEMO)/site.toml --out out/$(DEMO)
	@echo "The climate is invented. Written to out/$(DEMO)"

test: setup ## all tests, on every core
	@$(BIN)/python -m pytest -n auto --dist worksteal

check: setup ## format, lint, types and sizes
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/python scripts/check_sizes.py

bench: setup ## speed, side by side with plain loops and C
	$(BIN)/python -m benchmarks

docs: setup ## the documentation as a site in out/docs, with every link checked
	$(BIN)/python scripts/write_field_docs.py
	$(BIN)/mkdocs build --quiet
	@echo "Open out/docs/index.html"

clean: ## remove .venv, caches and results
	rm -rf .venv out build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis
	find . -name __pycache__ -type d -prune -exec rm -rf {} +
