"""Quantities, evaluation, comparison and declaration of a variant.  One evaluation feeds every view and export."""
