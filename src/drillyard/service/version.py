"""The version of the program as it is installed."""

from importlib.metadata import PackageNotFoundError, version


def program_version() -> str:
    """Such as "0.1.0"; "source" where the program runs from its source without being installed."""
    try:
        return version("drillyard")
    except PackageNotFoundError:
        return "source"
