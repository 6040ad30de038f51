"""Wind by ASCE 7-16, and what is judged beside it: the pressure of a gust, and what of it a wall takes."""
