"""Materials: strict formulas, the oxides, what a material brings, and the stock on the shelf."""
