package drill

import (
	"crypto/aes"
	"crypto/cipher"
	"crypto/sha256"
	"encoding/json"
	"fmt"
)

// The seal keeps an honest learner from seeing the answer by opening the file:
// the truth is encrypted (AES-GCM) under a key that is made of the file's own
// salt and fingerprint. It is no secret from someone who writes a program for
// it; looking is then a deliberate act.

func sealer(salt []byte, print string) (cipher.AEAD, []byte, error) {
	key := sha256.Sum256(append([]byte("fishplate drill seal "+print+" "), salt...))
	block, err := aes.NewCipher(key[:])
	if err != nil {
		return nil, nil, err
	}
	gcm, err := cipher.NewGCM(block)
	if err != nil {
		return nil, nil, err
	}
	nonce := sha256.Sum256(append([]byte("nonce "), salt...))
	return gcm, nonce[:gcm.NonceSize()], nil
}

// sealedSize is what every truth is padded to, so that the length says nothing.
const sealedSize = 1024

func seal(t truth, salt []byte, print string) ([]byte, error) {
	gcm, nonce, err := sealer(salt, print)
	if err != nil {
		return nil, err
	}
	plain, err := json.Marshal(t)
	if err != nil {
		return nil, err
	}
	for len(plain)%sealedSize != 0 {
		plain = append(plain, ' ')
	}
	return gcm.Seal(nil, nonce, plain, nil), nil
}

func unseal(sealed, salt []byte, print string) (truth, error) {
	var t truth
	gcm, nonce, err := sealer(salt, print)
	if err != nil {
		return t, err
	}
	plain, err := gcm.Open(nil, nonce, sealed, nil)
	if err != nil {
		return t, fmt.Errorf("this saved drill was changed or damaged: its seal does not open")
	}
	if err := json.Unmarshal(plain, &t); err != nil {
		return t, fmt.Errorf("this saved drill is damaged: %w", err)
	}
	return t, nil
}
