// A unit switch converts the figure that is shown. Without this script the figure stays and the server reads it in the chosen unit.
for (const select of document.querySelectorAll('select[data-unit-of]')) {
  const input = document.getElementById(select.dataset.unitOf);
  let factor = Number(select.selectedOptions[0]?.dataset.factor);
  select.addEventListener('change', () => {
    const next = Number(select.selectedOptions[0]?.dataset.factor);
    const shown = input.value.trim();
    const typed = shown.replace(',', '.');
    const ambiguous = /^[+-]?[1-9]\d{0,2},\d{3}$/.test(shown);
    if (!ambiguous && /^[+-]?(\d+\.?\d*|\.\d+)$/.test(typed) && factor > 0 && next > 0 && next !== factor) {
      const digits = Math.max(3, typed.replace(/^[+-]?0*\.?0*|\./g, '').length);
      input.value = String(Number(((Number(typed) * factor) / next).toPrecision(Math.min(digits, 6))));
      input.dispatchEvent(new Event('input', { bubbles: true }));
    }
    factor = next;
  });
}

// The list of what must be mended takes the focus, so that it is read first.
document.querySelector('[data-focus]')?.focus();
