import sharp from 'sharp';

/** A small photo unlike any other of the run. */
export function smallPicture(): Promise<Buffer> {
  const some = () => Math.floor(Math.random() * 256);
  const background = { r: some(), g: some(), b: some() };
  return sharp({ create: { width: 200 + some(), height: 200 + some(), channels: 3, background } })
    .jpeg()
    .toBuffer();
}
