import { hash } from 'node:crypto';

/** SHA-256 of a text (in UTF-8) or of bytes, 64 hexadecimal digits. @source FIPS 180-4 */
export function sha256Of(content: string | Uint8Array): string {
  return hash('sha256', content);
}
