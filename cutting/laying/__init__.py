"""From the search's integers to layouts for people and the plan of the whole job."""
