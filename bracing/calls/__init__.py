"""What a program calls: the questions of the command line, with answers that show and write themselves; and arrays.

answers   each question with its answer
arrays    the limit gusts of many jobs, and a job at many gusts
layouts   many layouts of one wall at one gust
"""
