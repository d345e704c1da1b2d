"""Budgets that were frozen or approved before their trade had a rate."""

from ledger.store.batches import Batch
from ledger.store.book import Book


def fill_budget_rates(book: Book, batch: Batch) -> int:
    """Give standing budgets without a rate the standard rate of their day; return how many."""
    count = batch.append_query("budget_posting", "baseline/budget_postings_rated")
    batch.append_query("plan_posting", "baseline/plan_postings_rated")
    # Each as a posting that takes the old one out and one that puts the new one in.
    return count // 2
