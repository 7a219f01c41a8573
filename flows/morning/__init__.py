"""The morning text: a bell of the site, what it says of today, and what runs out soon."""
