"""How likely it is: strengths at their medians and their scatter, drawn against the wind of a night and of weeks.

It stands beside the limits and moves none of them: a chance is no permission, and nothing here says within or over.
"""
