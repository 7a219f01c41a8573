"""The invented district: nothing here is a real place, person, number or product."""
