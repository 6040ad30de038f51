"""The chain from wind to floor: what each link must carry, what it may carry, and at what gust the two meet.

materials  the job's lumber, panels and fasteners looked up once
foot       the cleat and its floor
brace      strengths of one brace, each as the horizontal force it may give the wall
wall       strengths of the wall itself
forces     the panel solved for a set of braces, steady part and part per gust squared
links      every link: demand, capacity, ratio
limits     the gust at which a ratio reaches 1
"""
