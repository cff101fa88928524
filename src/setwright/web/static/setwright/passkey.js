// Says in words what the browser tells of a passkey that did not work; the rest is the log-in library's own script.
const PRESSED = "#passkey_login, #mfa_webauthn_add, #mfa_webauthn_authenticate, #mfa_webauthn_reauthenticate";

document.addEventListener("allauth.error", (event) => {
  event.preventDefault();
  const said = document.getElementById("passkey-said");
  const was = event.detail.exception;
  if (!said) return;
  said.textContent = was && was.name === "NotAllowedError"
    ? "It was stopped, or took too long. Try again, or use another way."
    : "This device can't do that here. Use another way.";
});

// The library's script listens from here on: a press that came earlier would have done nothing.
document.addEventListener("DOMContentLoaded", () => {
  for (const button of document.querySelectorAll(PRESSED)) {
    button.disabled = false;
    // Enter in a field asks for the key too, and sends nothing without it.
    button.form.addEventListener("submit", (event) => {
      event.preventDefault();
      button.click();
    });
  }
});
