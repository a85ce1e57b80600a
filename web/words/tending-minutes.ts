/** Minutes offered for "I am opening this"; 30 is the most that is allowed (A3). */
export const tendingMinutes = [5, 15, 30] as const
