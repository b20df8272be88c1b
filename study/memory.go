package study

import (
	"context"
	"maps"
	"sync"
)

// Memory keeps results of units as long as the program runs.
type Memory struct {
	mu    sync.Mutex
	units map[string]map[int][]byte
}

// NewMemory is an empty memory.
func NewMemory() *Memory { return &Memory{units: make(map[string]map[int][]byte)} }

// KeepUnit keeps a result; the first of a unit stays.
func (m *Memory) KeepUnit(_ context.Context, study string, number int, result []byte) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.units[study] == nil {
		m.units[study] = make(map[int][]byte)
	}
	if _, there := m.units[study][number]; !there {
		m.units[study][number] = result
	}
	return nil
}

// Units gives the results that are kept.
func (m *Memory) Units(_ context.Context, study string) (map[int][]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return maps.Clone(m.units[study]), nil
}

// ForgetUnits drops the results of a study.
func (m *Memory) ForgetUnits(_ context.Context, study string) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	delete(m.units, study)
	return nil
}
