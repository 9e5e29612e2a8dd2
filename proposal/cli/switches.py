"""Switches that several commands have."""

import argparse


def days_switch(parser: argparse.ArgumentParser) -> None:
    """The switch that leaves the days out."""
    parser.add_argument(
        "--without-days",
        action="store_true",
        help="leave out what happens over days and years, and the findings that rest on it",
    )
