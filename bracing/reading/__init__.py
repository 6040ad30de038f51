"""Files, options, forecasts, charts and answers of a person into a job, every fault gathered; and back into files."""
