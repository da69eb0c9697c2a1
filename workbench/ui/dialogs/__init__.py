"""Dialogs: questions that return a frozen answer and change nothing themselves."""
