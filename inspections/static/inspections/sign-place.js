// Where the phone stands when a sign is seen: only on a press, only where the phone can say; without it the form works.
(() => {
  if (!navigator.geolocation) { return; }
  for (const form of document.querySelectorAll("form[data-place]")) {
    const button = form.querySelector("[data-take-place]");
    const told = form.querySelector("[data-place-told]");
    const box = (name) => form.querySelector(`input[name$='-${name}']`);
    button.hidden = false;
    button.addEventListener("click", () => {
      told.textContent = "Looking for the place …";
      navigator.geolocation.getCurrentPosition(
        ({ coords }) => {
          box("lon").value = coords.longitude.toFixed(6);
          box("lat").value = coords.latitude.toFixed(6);
          told.textContent = `Place taken, good to ${Math.round(coords.accuracy * 3.28084)} ft.`;
        },
        () => { told.textContent = "The phone gives no place; send without it."; },
        { enableHighAccuracy: true, timeout: 20000, maximumAge: 30000 },
      );
    });
  }
})();
