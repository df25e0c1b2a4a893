/**
 * Names how a composed record is set on its pages: another one wherever the same document would be drawn in any way otherwise,
 * or the schema that is attached to it would be another.
 * A record keeps the one that drew it, so that only pages that this version would draw alike are compared with it.
 */
export const drawingVersion = '2026.11.14';
