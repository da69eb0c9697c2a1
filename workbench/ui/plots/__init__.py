"""Plots: widgets that paint figures by hand.  They take plain data and know no project and no session.

``scale`` keeps a drag from jittering, ``faces`` and ``fills`` hold laid-out texts and patterns, ``reading`` says what a
bar is given, ``stacked_bar`` is the chart, ``legend`` its parts in words, ``lines`` the painted lines around it.
"""
