import { expect, test } from 'vitest';
import { inTurns, oneAtATime } from '../src/in-turns.js';

/** A piece of work that ends when it is told to, and says when it began. */
function piece(name: string, begun: string[]) {
  let end: (how?: Error) => void = () => undefined;
  const ended = new Promise<string>((resolve, reject) => {
    end = (how) => (how === undefined ? resolve(name) : reject(how));
  });
  const work = () => {
    begun.push(name);
    return ended;
  };
  return { work, end };
}

const settled = () => new Promise((resolve) => setImmediate(resolve));

test('a piece of work begins when the one before it has ended, though that one failed', async () => {
  const begun: string[] = [];
  const [first, second] = [piece('first', begun), piece('second', begun)];
  const inTurn = oneAtATime();
  const answers = [inTurn(first.work), inTurn(second.work)];
  const failed = expect(answers[0]).rejects.toThrow('broken');
  await settled();
  expect(begun).toEqual(['first']);
  first.end(new Error('broken'));
  await failed;
  await settled();
  expect(begun).toEqual(['first', 'second']);
  second.end();
  expect(await answers[1]).toBe('second');
});

test('with as many under way and waiting as may, another is sent away, until one of them has ended', async () => {
  const begun: string[] = [];
  const [first, second, third] = [piece('first', begun), piece('second', begun), piece('third', begun)];
  const inTurn = inTurns(2);
  const answers = [inTurn(first.work), inTurn(second.work)];
  expect(inTurn(third.work)).toBeUndefined();
  first.end();
  await answers[0];
  expect(inTurn(third.work)).toBeInstanceOf(Promise);
  await settled();
  expect(begun).toEqual(['first', 'second']);
});
