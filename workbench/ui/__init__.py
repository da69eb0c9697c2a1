"""The window.  It shows documents and results and computes none.

``app`` builds everything; ``main_window`` lays it out; ``documents`` opens and saves; ``session`` is the one open
project with its undo stack; ``commands`` the one undo command; ``actions`` the table of user actions; ``messages`` the
only place that tells or asks the user something; ``theme`` colours, fonts and measures; ``readings`` makes of results
what a chart draws.  ``models`` adapt a session to Qt's views, ``tables`` show and edit them, ``panels`` are the parts
of the window and do not know each other, ``plots`` draw figures and know no documents, ``dialogs`` ask and return a
frozen answer.
"""
