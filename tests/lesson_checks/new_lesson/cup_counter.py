"""Cup counter: how many cups a bucket fills."""

from __future__ import annotations

from glazekit.ground.numbers import parse_volume_ml, show_number
from glazekit.lab.controls import row, text_box
from glazekit.lab.panel import Children, Panel


class CupCounter(Panel):
    """A bucket and a cup."""

    name = "cup counter"
    home = "99"

    def build(self) -> Children:
        """Two boxes."""
        self.bucket = self.keep("bucket", text_box(self.words("bucket"), "3000"))
        self.cup = self.keep("cup", text_box(self.words("cup"), "200"))
        return (row(self.bucket, self.cup),)

    def paint(self) -> None:
        """Count."""
        cups = parse_volume_ml(self.bucket.value) / parse_volume_ml(self.cup.value)
        self.tell(self.words("told", cups=show_number(cups, 1)), "note")
