"""The kitchen card: ``blocks`` sets its parts at any size, ``layout`` puts them on as few pages as are legible."""
