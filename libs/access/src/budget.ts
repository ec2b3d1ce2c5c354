/** So many at once, and so many a second in the long run. */
export interface BudgetRule {
  readonly atOnce: number;
  readonly perSecond: number;
}

/** What is left of a budget at an instant of a clock that never goes back, ms. */
export interface Budget {
  readonly left: number;
  readonly atMs: number;
}

/** Taking one: whether there was one, what is left, and in how many ms there is one again. */
export interface Taken {
  readonly taken: boolean;
  readonly budget: Budget;
  readonly waitMs: number;
}

/** Takes one from a budget that fills again in time (a token bucket); `undefined` is a full one. */
export function takeOne(budget: Budget | undefined, rule: BudgetRule, nowMs: number): Taken {
  const left = leftOf(budget, rule, nowMs);
  if (left >= 1) return { taken: true, budget: { left: left - 1, atMs: nowMs }, waitMs: 0 };
  return { taken: false, budget: { left, atMs: nowMs }, waitMs: ((1 - left) / rule.perSecond) * 1000 };
}

/** Gives one back: what was taken turned out to cost nothing. */
export function giveBack(budget: Budget | undefined, rule: BudgetRule, nowMs: number): Budget {
  return { left: Math.min(rule.atOnce, leftOf(budget, rule, nowMs) + 1), atMs: nowMs };
}

/** Whether the budget is full again: then it need not be remembered. */
export function isFull(budget: Budget, rule: BudgetRule, nowMs: number): boolean {
  return leftOf(budget, rule, nowMs) >= rule.atOnce;
}

function leftOf(budget: Budget | undefined, rule: BudgetRule, nowMs: number): number {
  if (budget === undefined) return rule.atOnce;
  return Math.min(rule.atOnce, budget.left + (Math.max(0, nowMs - budget.atMs) / 1000) * rule.perSecond);
}
