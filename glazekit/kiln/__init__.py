"""The kiln: schedules, cones, heat work as a sketch, what happens at which temperature, and a firing as it went."""
