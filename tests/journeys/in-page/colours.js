// Runs in a page ahead of what judges its colours; see page-contrast.ts.
// biome-ignore lint/correctness/noUnusedVariables: what comes behind it in the same script uses it.
const colours = (() => {
  const pen = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
  const known = new Map();
  /** Any colour that the browser knows, as red, green, blue and how opaque it is. */
  const parts = (colour) => {
    if (!known.has(colour)) {
      pen.clearRect(0, 0, 1, 1);
      pen.fillStyle = colour;
      pen.fillRect(0, 0, 1, 1);
      const [r, g, b, a] = pen.getImageData(0, 0, 1, 1).data;
      known.set(colour, [r, g, b, a / 255]);
    }
    return known.get(colour);
  };
  const over = ([r, g, b, a], under) => [r, g, b].map((part, k) => part * a + under[k] * (1 - a)).concat([1]);
  // WCAG 2.2, relative luminance and contrast ratio.
  const luminance = (colour) => {
    const [r, g, b] = colour.map((part) => {
      const s = part / 255;
      return s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const contrast = (a, b) => {
    const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y);
    return (light + 0.05) / (dark + 0.05);
  };
  /** The grounds that may lie behind an element: its own colour, and each colour of a hatching above it. */
  const grounds = (element) => {
    if (element === null) return [[255, 255, 255, 1]];
    const { backgroundColor, backgroundImage, backgroundRepeat } = getComputedStyle(element);
    const own = parts(backgroundColor);
    const below = own[3] === 1 ? [own] : grounds(element.parentElement).map((under) => over(own, under));
    // A band or a mark that is drawn once stands beside the words.
    if (backgroundImage === 'none' || /no-repeat/.test(backgroundRepeat)) return below;
    const hatched = (backgroundImage.match(/rgba?\([^)]*\)/g) ?? []).map(parts);
    return [...below, ...hatched.flatMap((c) => below.map((under) => over(c, under)))];
  };
  return { parts, over, contrast, grounds };
})();
