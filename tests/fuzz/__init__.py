"""Fuzzing of everything that reads a file or a typed value: `python -m tests.fuzz`; a short run stands in
test_loader_regressions.py.
"""
