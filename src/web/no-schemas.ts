import type { FastifyServerOptions } from 'fastify';

const refuse = (): never => {
  throw new Error('a route has a JSON Schema, and nothing here reads or writes by one');
};

/**
 * What is sent is read with zod. Where no compilers are named, Fastify loads its own for JSON Schema, a hundred modules at every start. A
 * route that comes with a schema all the same stops the start, and is not left unread.
 */
export const noSchemas: NonNullable<FastifyServerOptions['schemaController']> = {
  compilersFactory: { buildValidator: refuse, buildSerializer: refuse },
};
