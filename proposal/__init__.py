"""Proposals and reports for installers of extra-low-voltage DC battery systems."""


def __getattr__(name: str) -> str:
    """Read ``__version__`` from the installed package only when somebody asks."""
    if name == "__version__":
        from importlib.metadata import PackageNotFoundError, version  # noqa: PLC0415 - costs 20 ms, rarely needed

        try:
            return version("proposal")
        except PackageNotFoundError:
            return "0+unknown"
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
