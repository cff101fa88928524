// Says in words what the browser tells of a passkey that did not work; the rest is the log-in library's own script.
document.addEventListener("allauth.error", (event) => {
  event.preventDefault();
  const said = document.getElementById("passkey-said");
  const was = event.detail.exception;
  if (!said) return;
  said.textContent = was && was.name === "NotAllowedError"
    ? "It was stopped, or took too long. Try again, or use another way."
    : "This device can't do that here. Use another way.";
});
