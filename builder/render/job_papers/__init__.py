"""The papers of a job: what the owner is shown before the work, and the record of it afterwards."""
