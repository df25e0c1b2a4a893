/** The version of the tables, limits and rules; a job and a record keep the one that judged them. */
export const rulesVersion = '2026.11';
