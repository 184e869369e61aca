"""The packages of the wheel; all else stands in pyproject.toml."""

from setuptools import find_namespace_packages, find_packages, setup

DATA = ["towlib.data", *(f"towlib.data.{folder}" for folder in find_namespace_packages("data"))]
setup(packages=[*find_packages(include=["towlib*"]), *DATA])
