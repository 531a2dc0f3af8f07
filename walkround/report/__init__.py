"""The record of a walk-round and the pages made from it."""
