/** Every formula of the program, in one list. To add one: write it in its family's file and name that family here. */
import type { Formula } from './formula.ts'
import { walkingAndRunning } from './cost-treadmill.ts'

export const formulas: readonly Formula[] = [...walkingAndRunning]

const byId = new Map(formulas.map((formula) => [formula.id, formula]))

/** The formula with this id, or undefined. Ids are kebab-case and never reused. */
export function formulaById(id: string): Formula | undefined {
  return byId.get(id)
}

/** The families in the order of the list. */
export function families(): readonly string[] {
  return [...new Set(formulas.map((formula) => formula.family))]
}
