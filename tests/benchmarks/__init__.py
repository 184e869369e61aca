"""Ratios of speed, measured side by side in one run: `python -m tests.benchmarks` prints them; they decide no
test.
"""
