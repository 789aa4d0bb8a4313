# Two commands do everything on a fresh machine with Python 3.11 or later and make:
#   make lab     the main job: the demo aircraft's verdict table, then the notebooks in JupyterLab
#   make test    every test
# Also: make check (format, lint, types), make fuzz (a random search for what breaks the property tests), make wheel-test (the built
# wheel in a fresh environment), make benchmarks, make slips (deliberate slips against the tests), make docs, make lock, make clean.

VENV := .venv
PY := $(VENV)/bin/python
READY := $(VENV)/ready
# The environment is made anew when the checkout was moved: scripts and the link to the checkout hold its path.
MADE_FOR := $(shell cat $(READY) 2>/dev/null)
ifneq ($(MADE_FOR),$(CURDIR))
MOVED := moved
endif
DIR ?=

# Compiled Python is kept: without it every process, each notebook's kernel too, compiles all that it imports, some six seconds of work.
unexport PYTHONDONTWRITEBYTECODE

.PHONY: lab test test-unit test-notebooks test-browser fuzz check format notebooks docs benchmarks wheel wheel-test slips lock env clean moved
.NOTPARALLEL:

lab: env
	@$(PY) -m rotorkit lab $(DIR)

# Tests run two and more at a time: threads of the linear algebra beneath them would only wait for each other.
test test-unit test-notebooks test-browser fuzz slips: export OPENBLAS_NUM_THREADS := 1

# All three parts run even when one fails; the answer is failure if any did.
test: env
	@$(MAKE) --no-print-directory --keep-going test-unit test-notebooks test-browser

test-unit: env
	$(PY) -m pytest -p no:nbval -n auto --dist loadfile --no-loadscope-reorder --ignore=tests/browser $(PYTEST_ARGS)

# In a fresh working folder, as a builder has it: the notebooks with the demo aircraft and its readings beside them.
test-notebooks: env
	@rm -rf build/notebooks && $(PY) -m tests.working_folder build/notebooks
	$(PY) -m pytest -p tests.fixed_clock -p tests.ready_kernel -n auto --dist loadfile --nbval-lax --nbval-cell-timeout=60 --nbval-sanitize-with=tests/notebooks/sanitise.cfg build/notebooks $(PYTEST_ARGS)

# Without a Chromium these are skipped, and say so; ROTORKIT_REQUIRE_BROWSER=1 makes that a failure. Each of two workers
# has a JupyterLab and a Chromium of its own, and test_each_notebook.py is about half of the work. Kernels, here and for
# the notebooks, are forks of one process that has imported the library (tests/ready_kernel).
test-browser: env
	$(PY) -m pytest -p no:nbval -p tests.ready_kernel -n 2 --dist loadgroup tests/browser $(PYTEST_ARGS)

# The property tests with other examples every time, and FUZZ times as many. What it finds becomes an example of its test, so that
# `make test` has it from then on. Of everything, or of what PYTEST_ARGS names: PYTEST_ARGS="tests/quantities".
FUZZ ?= 20
fuzz: env
	ROTORKIT_FUZZ=$(FUZZ) $(PY) -m pytest -p no:nbval -m hypothesis --ignore=tests/browser $(PYTEST_ARGS)

check: env
	@failed=0; for tool in "ruff format --check ." "ruff check ." mypy; do \
	  echo "$(PY) -m $$tool"; $(PY) -m $$tool || failed=1; \
	done; exit $$failed

format: env
	$(PY) -m ruff format .
	$(PY) -m ruff check --fix .

# The notebooks, from the sheets; each keeps its own cells.
notebooks: env
	$(PY) -m tests.notebooks.generate

# The manual and the library as a site, in build/docs/site: nothing is fetched, a warning or a link that leads nowhere is a failure.
docs: env
	$(PY) -m docs.build

# Every file in there measures something. The browser's redraws take two minutes; without a Chromium they are skipped.
benchmarks: env
	$(PY) -m pytest -p no:nbval -s -o python_files='*.py' tests/benchmarks $(PYTEST_ARGS)

wheel: env
	@rm -rf build/wheel && $(PY) -m hatchling build -t wheel -d build/wheel

wheel-test: wheel
	$(PY) -m pytest -p no:nbval tests/packaging $(PYTEST_ARGS)

# Deliberate slips, one at a time, in memory: which of them the tests in reach catch. SLIPS="rigging" or a file's name for a part.
slips: env
	$(PY) -m tests.slips $(SLIPS)

# Newest versions that fit pyproject.toml, for every supported Python and system in one file, with hashes and without addresses.
lock: env
	$(VENV)/bin/uv pip compile pyproject.toml --extra test --universal --python-version 3.11 --upgrade --generate-hashes \
	  --no-header --no-annotate --no-emit-index-url --no-emit-find-links --quiet --output-file requirements.txt

env: $(READY)

# A venv by the standard library; into it uv, pinned by the same file, which fetches the rest several times faster than pip.
$(READY): requirements.txt pyproject.toml $(MOVED)
	@set -e; \
	for python in $(PYTHON) python3 python3.13 python3.12 python3.11; do \
	  if "$$python" -c 'import sys; sys.exit(sys.version_info < (3, 11))' >/dev/null 2>&1; then found="$$python"; break; fi; \
	done; \
	if [ -z "$$found" ]; then \
	  echo "rotorkit needs Python 3.11 or later; none of python3, python3.13, python3.12, python3.11 here is one."; \
	  echo "Install it, or name it: make PYTHON=/where/it/is/python3 $(MAKECMDGOALS)"; exit 1; \
	fi; \
	if ! "$$found" -c 'import venv, ensurepip' >/dev/null 2>&1; then \
	  echo "This Python ($$found) cannot make environments. On Debian and Ubuntu: sudo apt install python3-venv"; exit 1; \
	fi; \
	echo "Making the environment in $(VENV) with $$("$$found" --version) (once; about half a minute, 1 GB)"; \
	"$$found" -m venv --clear $(VENV); \
	awk '/^uv==/ {on = 1} on {print} on && !/\\$$/ {exit}' requirements.txt > $(VENV)/uv.txt; \
	$(PY) -m pip install -qq --disable-pip-version-check --require-hashes -r $(VENV)/uv.txt; \
	$(PY) -m uv pip install --quiet --python $(PY) --require-hashes -r requirements.txt; \
	$(PY) -m uv pip install --quiet --python $(PY) --no-deps --no-build-isolation --editable .; \
	$(PY) -c "import ipykernel.kernelapp, jupyterlab.labapp, matplotlib.figure, scipy.optimize, sympy, typst, rotorkit.cli, rotorkit.notebook"; \
	printf '%s\n' "$(CURDIR)" > $(READY)

moved:

clean:
	rm -rf $(VENV) build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis tests/browser/screenshots
