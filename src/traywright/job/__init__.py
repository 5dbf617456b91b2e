"""The job: the stages in their order; the only place that knows them all."""
