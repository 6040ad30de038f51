"""`storm`: a forecast against a standing wall, and the least work that covers its worst hour.

clock      moments as people say them
forecast   gusts to plan for, hour by hour
ladder     the wall in its worst hour, and the least work, as steps in the order a crew does them
answer     hour by hour, when to be out, what to do, of one wall
first      which walls to do first: one crew, its hours, what is on hand
folder     every wall of a job
"""
