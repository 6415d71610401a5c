"""What a meter should read on site, and what may be behind a reading that does not fit."""
