"""Words: everything a learner reads in an exercise, a panel or a sheet, one TOML a lesson, and its reader."""
