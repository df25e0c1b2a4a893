/** The version of the tables, limits and rules: another one wherever a verdict may be another. A circuit keeps the one that it was entered under, a record the one that judged it. */
export const rulesVersion = '2026.11.14';
