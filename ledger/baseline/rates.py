"""Budgets that were frozen or approved before their trade had a rate."""

from ledger.store.batches import Batch
from ledger.store.book import Book


def fill_budget_rates(book: Book, batch: Batch) -> list[str]:
    """Give standing budgets without a rate the standard rate of their day; say how many rows."""
    count = batch.append_query("budget_posting", "baseline/budget_rates_found")
    batch.append_query("plan_posting", "baseline/plan_rates_found")
    return [f"rate: {count // 2} budgets took their rate"] if count else []
