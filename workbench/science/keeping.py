"""Cooling and keeping of moist cooked food by the cautious default.

Cooling: United States Food Code 3-501.14(A), as enacted in the Delaware Administrative Code, title 16.  Keeping: 5 °C
or below (Food Code 3-501.16) and no more than a day (advice of the United Kingdom's Food Standards Agency on cooked
rice).  A professional's own validated plan goes before these.
"""

from typing import Final

COOL_FROM_degC: Final = 57.0
COOL_FIRST_TO_degC: Final = 21.0
COOL_FIRST_HOURS: Final = 2.0
COOL_THEN_TO_degC: Final = 5.0
COOL_ALTOGETHER_HOURS: Final = 6.0
KEEP_AT_MOST_degC: Final = 5.0
KEEP_HOURS: Final = 24.0
OUT_OF_COLD_HOURS: Final = 2.0  # USDA FSIS: out of the fridge at most 2 h
OUT_OF_COLD_HEAT_HOURS: Final = 1.0  # and 1 h above 32 °C
HEAT_degC: Final = 32.0

COOLING_LAYER_MM: Final = 20.0
"""Depth at which a slab with cold air on both faces reaches 21 °C in 2 h and 5 °C in 6 h, in 4 °C air (heat transfer
10 W/m²K, conductivity 0.50 W/mK, diffusivity 1.4e-7 m²/s): first term of the series solution, 74 and 254 minutes."""
