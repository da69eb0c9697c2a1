"""MeasuredBar: what a bar shows of one quantity, in words too, and the room that it takes.

What a part is called stands below the bar, never inside it, so that a sliver is as readable as a long part.  How it is
painted is in ``painted_bar``, what a hand can do with it in ``stacked_bar``.
"""

import math

from PySide6.QtCore import QEvent, QRect, QSize
from PySide6.QtGui import QBrush, QColor, QFont, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbench.base.text import _, number
from workbench.ui.guard import guarded
from workbench.ui.plots.band_edges import Edge
from workbench.ui.plots.faces import Face, sized
from workbench.ui.plots.fills import pattern_brush
from workbench.ui.plots.legend import Legend
from workbench.ui.plots.reading import NO_READING, Band, Mark, Marker, Reading, Segment
from workbench.ui.plots.scale import round_step
from workbench.ui.theme import Colours, colours, number_font

PAD = 4  # around everything, where the focus frame runs
GAP = 4
OVERHANG = 4  # of band and marker above and below the bar
_WIDEST = "at least 000.0"  # what a figure may become in a drag
NO_RECT = QRect()


@guarded
class MeasuredBar(QWidget):
    """A bar with title, figure and legend.

    Parameters
    ----------
    key : str
        The quantity of the bar as a whole.
    unit : str
        Written behind figures.
    thin, large : bool
        A thin bar is a lesser figure and has no legend; a large one is the figure to see first.
    axis : bool
        Whether the scale is written below the bar.
    decimals : int
        With how many decimals limits are shown and set.
    """

    def __init__(
        self,
        key: str,
        unit: str,
        parent: QWidget | None = None,
        *,
        decimals: int = 1,
        thin: bool = False,
        large: bool = False,
        axis: bool = False,
    ) -> None:
        super().__init__(parent)
        self.key = key
        self._unit, self._thin, self._large, self._axis, self._decimals = unit, thin, large, axis, decimals
        self._title = self._note = ""
        self._segments: tuple[Segment, ...] = ()
        self._reading = NO_READING
        self._band: Band | None = None
        self._marker: Marker | None = None
        self._mark: Mark | None = None
        self._limit = 1.0
        self._ticks: tuple[tuple[float, str], ...] = ()
        self._chosen = -1  # index of the part under the keyboard; -1 is the whole
        self._held: Edge | None = None  # the edge of the band that a hand moves, or may take
        self._offers = False  # whether a bar without a target offers to set one
        self._bar = self._target_area = NO_RECT
        self._note_below = False
        self._brushes: list[QBrush] = []
        self._open_brush = QBrush()
        self._look: Colours = colours(self)
        self._make_faces()
        self._legend = Legend((), self._small)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.set_limit(1.0)

    @property
    def band(self) -> Band | None:
        """The target behind the bar."""
        return self._band

    @property
    def marker(self) -> Marker | None:
        """The other variant that the bar is seen against."""
        return self._marker

    @property
    def limit(self) -> float:
        """The end of the axis."""
        return self._limit

    @property
    def bar_area(self) -> QRect:
        """Where the bar itself is."""
        return self._bar

    def legend_areas(self) -> list[QRect]:
        """Where the entries of the legend are."""
        return self._legend.areas()

    # --- what it shows --------------------------------------------------------------------------------------------

    def set_parts(self, title: str, note: str, segments: tuple[Segment, ...]) -> None:
        """Name the bar and its parts."""
        self._title, self._note, self._segments = title, note, segments
        self._chosen = -1
        self.setAccessibleName(f"{title}, {note}" if note else title)
        self._restyle()

    def set_limit(self, limit: float) -> None:
        """Set the end of the axis."""
        if limit == self._limit and self._ticks:
            return
        step = round_step(limit)
        decimals = max(0, -math.floor(math.log10(step) + 1e-9))
        count = math.floor(limit / step + 1e-9)
        ticks = tuple((k * step, number(k * step, decimals)) for k in range(count + 1))
        self._limit, self._ticks = limit, ticks
        self.update()

    def set_context(self, band: Band | None, marker: Marker | None) -> None:
        """Set the target and the other variant that the bar is seen against."""
        if (band, marker) != (self._band, self._marker):
            self._band, self._marker = band, marker
            self._describe()
            self.update()

    def show_reading(self, reading: Reading, mark: Mark | None = None) -> None:
        """Show other figures and how they stand to the target; does nothing where they are the same."""
        if (reading, mark) == (self._reading, self._mark):
            return
        self._reading, self._mark = reading, mark
        if self._legend.reserve(reading.part_texts):
            self._arrange()
        self._describe()
        self.update()

    def settle(self) -> None:
        """The hand is off the slider: give back room that figures no longer need."""
        if self._legend.settle(self._reading.part_texts):
            self._arrange()
            self.update()

    def figure_text(self) -> str:
        """The figure as shown, with its unit."""
        known = math.isfinite(self._reading.value) and self._unit
        return f"{self._reading.text} {self._unit}" if known else self._reading.text

    def _describe(self) -> None:
        """The bar in words, for whoever does not see it."""
        said = [self.figure_text()]
        parts = zip(self._segments, self._reading.part_texts, strict=False)
        if len(self._segments) > 1:
            said += [f"{segment.label} {text} {self._unit}" for segment, text in parts]
        if self._band is not None:
            said.append(_("target {band}", band=self._band.text))
        if self._mark is not None:
            said.append(self._mark.word)
        if self._marker is not None:
            said.append(f"{self._marker.name} {self._marker.text}")
        words = "; ".join(said)
        if words != self.accessibleDescription():
            self.setAccessibleDescription(words)

    # --- measures ---------------------------------------------------------------------------------------------------

    def _make_faces(self) -> None:
        font: QFont = number_font(self.font())
        self._plain = Face(sized(font, 1.0, bold=not self._thin))
        self._small = Face(sized(font, 0.92))
        self._figure = Face(sized(font, 1.9 if self._large else 1.0, bold=True))

    def _restyle(self) -> None:
        """Fonts, colours or parts changed."""
        self._legend = Legend(self._segments if self._has_legend() else (), self._small)
        self._legend.reserve(self._reading.part_texts)
        self._look = colours(self)
        ratio = self.devicePixelRatioF()
        self._brushes = [pattern_brush(s.colour, s.pattern, self._look.pattern, ratio) for s in self._segments]
        self._open_brush = pattern_brush(QColor(0, 0, 0, 0), "slant", self._look.edge, ratio)
        self._arrange()
        self.update()

    def _title_height(self, width: int) -> int:
        height = max(self._plain.height, self._figure.height)
        return height + self._small.height if self._note_goes_below(width) else height

    def _note_goes_below(self, width: int) -> bool:
        """Whether the note needs a line of its own, so that it is never left out; the same throughout a drag."""
        beside = self._plain.width(self._title) + self._small.width(self._note) + self._figure.width(_WIDEST)
        return bool(self._note) and beside + self._small.width(self._unit) + 2 * PAD + 5 * GAP > width

    def _bar_height(self) -> int:
        return max(4, round(self._plain.height * (0.5 if self._thin else 1.15 if self._large else 0.9)))

    def _has_legend(self) -> bool:
        return not self._thin and len(self._segments) > 1

    def _arrange(self) -> None:
        """Place bar and legend for the width there is."""
        self._note_below = self._note_goes_below(self.width())
        top = PAD + self._title_height(self.width()) + OVERHANG
        self._bar = QRect(PAD, top, max(self.width() - 2 * PAD, 1), self._bar_height())
        self._legend.place(PAD, self._legend_top(self.width()), self.width() - PAD)
        if self.height() != self.heightForWidth(self.width()):
            self.updateGeometry()

    def _legend_top(self, width: int) -> int:
        return PAD + self._title_height(width) + 2 * OVERHANG + self._bar_height() + self._axis_height()

    def _axis_height(self) -> int:
        return self._small.height if self._axis else 0

    def heightForWidth(self, width: int) -> int:
        return self._legend_top(width) + self._legend.height(width - 2 * PAD) + PAD // 2

    def sizeHint(self) -> QSize:
        return QSize(24 * self._plain.height, self.heightForWidth(max(self.width(), 24 * self._plain.height)))

    def minimumSizeHint(self) -> QSize:
        return QSize(14 * self._plain.height, self.heightForWidth(max(self.width(), 14 * self._plain.height)))

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._arrange()

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.FontChange:
            self._make_faces()
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.PaletteChange):
            self._restyle()
        super().changeEvent(event)
