// A box to sign in, 600 by 200 units, beside the typed name. Strokes go into the hidden field as numbers: [[[x, y], …], …].
const width = 600;
const height = 200;

for (const field of document.querySelectorAll('input[data-signature]')) {
  const canvas = document.createElement('canvas');
  canvas.width = width * 2;
  canvas.height = height * 2;
  canvas.className = 'signature-pad';
  canvas.setAttribute('role', 'img');
  canvas.setAttribute(
    'aria-label',
    'Box for a drawn signature; the typed name above is enough where you cannot draw',
  );
  const clear = document.createElement('button');
  clear.type = 'button';
  clear.textContent = 'Clear the box';
  field.after(canvas, clear);

  let strokes = readStrokes(field.value);
  let current;
  const pen = canvas.getContext('2d');
  draw();

  const place = (event) => {
    const box = canvas.getBoundingClientRect();
    const clamp = (value, most) => Math.min(most, Math.max(0, Math.round(value * 10) / 10));
    return [
      clamp(((event.clientX - box.left) / box.width) * width, width),
      clamp(((event.clientY - box.top) / box.height) * height, height),
    ];
  };
  canvas.addEventListener('pointerdown', (event) => {
    if (strokes.length >= 200) return;
    event.preventDefault();
    canvas.setPointerCapture(event.pointerId);
    current = [place(event)];
    strokes.push(current);
    draw();
  });
  canvas.addEventListener('pointermove', (event) => {
    if (current === undefined || current.length >= 2000) return;
    const [x, y] = place(event);
    const [px, py] = current.at(-1);
    if (Math.hypot(x - px, y - py) >= 1.5) {
      current.push([x, y]);
      draw();
    }
  });
  for (const name of ['pointerup', 'pointercancel']) {
    canvas.addEventListener(name, () => {
      current = undefined;
      keep();
    });
  }
  clear.addEventListener('click', () => {
    strokes = [];
    draw();
    keep();
  });
  field.addEventListener('restored', () => {
    strokes = readStrokes(field.value);
    draw();
  });

  function keep() {
    field.value = strokes.length === 0 ? '' : JSON.stringify(strokes);
    field.dispatchEvent(new Event('input', { bubbles: true }));
  }
  function draw() {
    pen.setTransform(2, 0, 0, 2, 0, 0);
    pen.clearRect(0, 0, width, height);
    pen.strokeStyle = '#211b15';
    pen.lineWidth = 2.5;
    pen.lineCap = 'round';
    pen.lineJoin = 'round';
    for (const stroke of strokes) {
      pen.beginPath();
      pen.moveTo(...stroke[0]);
      for (const point of stroke) pen.lineTo(...point);
      pen.stroke();
    }
  }
}

function readStrokes(text) {
  try {
    const strokes = JSON.parse(text || '[]');
    return Array.isArray(strokes) ? strokes : [];
  } catch {
    return [];
  }
}
