"""Where the numbers of the glass models come from: fits to open measurements, tested on publications the fits never saw.

Run ``python -m glazekit.calibration``. Needs numpy, scipy and pandas (``pip install ".[appendix]"``); nothing else here does.

The way of a number: ``measurements`` reads and deals whole publications into folds, ``fits`` fits, ``intervals`` tells how wide
an honest interval is; ``appraisal`` predicts, flags what looks wrong and ties these together, ``report`` writes data/ and prints.
``derive`` makes data/open_glass from the database.
"""

import os

for _pool in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_pool, "1")  # before numpy comes: the matrices are small, and waiting threads only cost time
