"""`storm`: a forecast against a standing wall, and the least work that covers its worst hour.

moves      what a crew can do to a wall that stands, from a table
bench      the wall in the worst hour, asked again and again
added      where one more brace goes
ladder     the least work, as rungs in the order a crew does them
truck      what a rung takes
words      what is done on a rung
lay_down   until when it can be laid down
standing   nights, weekends and the wind of the whole time
answer     hour by hour, when to be out, what to do
folder     a job of many walls
"""
