// A unit switch converts a figure that the page gave, where its units come with factors. What a person typed stays as typed and is
// meant in the unit they choose: nobody's 3 m becomes 0.9. Without this script every figure stays.
for (const select of document.querySelectorAll('select[data-unit-of]')) {
  const input = document.getElementById(select.dataset.unitOf);
  const scale = () => select.selectedOptions[0]?.dataset ?? {};
  let { factor, zero } = scale();
  let given = input.defaultValue;
  select.addEventListener('change', () => {
    const next = scale();
    const shown = input.value.trim();
    const typed = shown.replace(',', '.');
    const ambiguous = /^[+-]?[1-9]\d{0,2},\d{3}$/.test(shown);
    if (
      input.value === given &&
      !ambiguous &&
      /^[+-]?(\d+\.?\d*|\.\d+)$/.test(typed) &&
      factor > 0 &&
      next.factor > 0 &&
      (next.factor !== factor || next.zero !== zero)
    ) {
      const digits = Math.max(3, typed.replace(/^[+-]?0*\.?0*|\./g, '').length);
      input.value = String(
        Number(
          (((Number(typed) - zero) * factor) / next.factor + Number(next.zero)).toPrecision(
            Math.min(digits, 6),
          ),
        ),
      );
      given = input.value;
      input.dispatchEvent(new Event('input', { bubbles: true }));
    }
    ({ factor, zero } = next);
  });
}

// What must be mended, what was taken or what the answer is takes the focus, so that it is read first; where the address leads to a
// part of the page, that part has it, after a reload too.
const toHear = document.getElementById(location.hash.slice(1)) ?? document.querySelector('[data-focus]');
toHear?.focus();
