"""The commands of labeller, registered in the order of the help: to begin, every day, on paper, for whoever answers for it."""

from labeller.cli import commands_begin, commands_daily, commands_paper, commands_past
from labeller.cli.application import app

__all__ = ["app", "commands_begin", "commands_daily", "commands_paper", "commands_past"]
