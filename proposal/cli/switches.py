"""Switches that several commands have."""

import argparse


def days_switch(parser: argparse.ArgumentParser) -> None:
    """The switch that leaves the days out."""
    parser.add_argument(
        "--without-days",
        action="store_true",
        help="leave out what happens over days and years, and the findings that rest on it",
    )


def stage_switch(parser: argparse.ArgumentParser) -> None:
    """The switch that leaves a record aside."""
    parser.add_argument(
        "--as-proposed",
        action="store_true",
        help="leave the record aside, if there is one, and show what was proposed",
    )
