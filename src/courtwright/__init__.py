"""Courtwright: design, foresee, plan and run small-sided basketball games."""

__version__ = "0.1.0"
