import type { FastifyInstance, FastifyReply } from 'fastify';
import { AppError } from '../../errors.js';
import type { Services } from '../services.js';

/** Photos under their own digest: what is at an address never changes. */
export function registerPhotos(app: FastifyInstance, { store }: Services): void {
  const send = (reply: FastifyReply, id: string, size: 'jpeg' | 'thumb') => {
    const photo = /^[0-9a-f]{64}$/.test(id) ? store.photos.get(id) : undefined;
    if (photo === undefined) throw new AppError('not-found', 'There is no such photo.');
    return reply
      .type('image/jpeg')
      .header('content-disposition', `inline; filename="photo-${id.slice(0, 12)}.jpg"`)
      .header('content-security-policy', "default-src 'none'; sandbox")
      .header('cache-control', 'private, max-age=31536000, immutable')
      .send(photo[size]);
  };
  app.get<{ Params: { photo: string } }>('/photos/:photo', async (request, reply) =>
    send(reply, request.params.photo, 'jpeg'),
  );
  app.get<{ Params: { photo: string } }>('/photos/:photo/small', async (request, reply) =>
    send(reply, request.params.photo, 'thumb'),
  );
}
