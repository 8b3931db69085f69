// Passkeys: the server says what is to be signed, the device asks its owner and signs, the server lets in or says no.
"use strict";

const bytesOf = (text) => Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (sign) => sign.charCodeAt(0));
const textOf = (bytes) => btoa(String.fromCharCode(...new Uint8Array(bytes))).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");

const withBytes = (keys) => (keys ?? []).map((key) => ({ ...key, id: bytesOf(key.id) }));

async function say(address, said) {
  const answer = await fetch(address, {
    method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(said),
  });
  const told = await answer.json().catch(() => ({}));
  if (!answer.ok && told.next) location.assign(told.next);
  if (!answer.ok) throw new Error(told.wrong ?? "This did not work. Try again.");
  return told;
}

async function signed(options) {
  const publicKey = { ...options, challenge: bytesOf(options.challenge), allowCredentials: withBytes(options.allowCredentials) };
  const { id, rawId, type, response } = await navigator.credentials.get({ publicKey });
  return {
    id, rawId: textOf(rawId), type,
    response: {
      clientDataJSON: textOf(response.clientDataJSON),
      authenticatorData: textOf(response.authenticatorData),
      signature: textOf(response.signature),
      userHandle: response.userHandle ? textOf(response.userHandle) : null,
    },
  };
}

async function made(options) {
  const publicKey = {
    ...options,
    challenge: bytesOf(options.challenge),
    user: { ...options.user, id: bytesOf(options.user.id) },
    excludeCredentials: withBytes(options.excludeCredentials),
  };
  const { id, rawId, type, response } = await navigator.credentials.create({ publicKey });
  return {
    id, rawId: textOf(rawId), type,
    response: { clientDataJSON: textOf(response.clientDataJSON), attestationObject: textOf(response.attestationObject) },
  };
}

const WAYS = {
  "sign-in": async (button) => say("/account/passkey/sign-in", {
    answer: await signed((await say("/account/passkey/ask", {})).options), next: button.dataset.next,
  }),
  second: async (button) => say("/account/passkey/sign-in", {
    answer: await signed(JSON.parse(button.dataset.options)), next: button.dataset.next, second: true,
  }),
  confirm: async (button) => say("/account/passkey/confirm", {
    answer: await signed((await say("/account/passkey/ask-again", {})).options), next: button.dataset.next,
  }),
  new: async () => say("/account/passkey/keep", {
    answer: await made((await say("/account/passkey/ask-new", {})).options), name: document.getElementById("key-name").value,
  }),
};

function tell(sentence) {
  const place = document.querySelector("[data-passkey-wrong]");
  place.textContent = sentence;
  place.hidden = sentence === "";
}

async function act(button) {
  tell("");
  button.disabled = true;
  try {
    location.assign((await WAYS[button.dataset.passkey](button)).next);
  } catch (fault) {
    // A device says in its own dialogue what it does not want; why a key was not used is told to nobody else.
    tell(fault instanceof DOMException ? "The passkey was not used. Try again, or another way." : fault.message);
    button.disabled = false;
  }
}

if (window.PublicKeyCredential) {
  for (const place of document.querySelectorAll("[data-passkey-shown]")) place.hidden = false;
  for (const button of document.querySelectorAll("button[data-passkey]")) button.addEventListener("click", () => act(button));
}
